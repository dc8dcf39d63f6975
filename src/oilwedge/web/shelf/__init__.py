"""What the shop owns: instruments, strips, parts in stock."""
