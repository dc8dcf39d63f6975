"""The record for other programs: JSON over HTTP with tokens."""
