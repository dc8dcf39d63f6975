"""Rendered photographs of a flattened strip, with their truth known exactly.

For tests and benchmarks of the photo reader only, and apart from it: nothing in here imports the
package, and nothing in here is fitted to what the reader finds. Frozen before the reader was begun.
Rendered pictures are not photographs: what is tested on them alone is said to be.
"""
