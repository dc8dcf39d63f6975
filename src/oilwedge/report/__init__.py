"""Neutral documents and their faces: terminal text, SVG drawings and PDF.

A leaf: it knows no engine and no uncertainty.  Whoever builds a document
hands over finished words and plain numbers.
"""
