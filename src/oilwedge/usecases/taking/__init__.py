"""Type readings at the bench: a pure state machine that a face feeds with typed lines."""
