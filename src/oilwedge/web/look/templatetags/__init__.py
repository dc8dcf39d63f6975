"""What templates may write."""
