"""The pages of coming in, people and accounts; above the record, which :mod:`people` is not."""
