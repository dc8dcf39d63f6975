"""The pages of a job: work in hand, one job, a fit, parts, notes, closing, sheets."""
