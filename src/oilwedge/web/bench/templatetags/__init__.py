"""Tags and filters of the bench's templates."""
