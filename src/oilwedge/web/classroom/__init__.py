"""A class: one task at many benches, measured blind, seen on one page."""
