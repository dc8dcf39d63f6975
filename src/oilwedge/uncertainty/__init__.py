"""A value with its sensitivities to named error sources: budgets, coverage, decisions."""
