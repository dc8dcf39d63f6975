"""What a shop owns: instruments, strips, people; the shop file in."""
