"""Readings into sizes: instruments, readings, temperature, form, strips, comparison of ways.

Knows no engine: features are opaque names, values are plain SI floats or quantities that carry
their named error sources.
"""
