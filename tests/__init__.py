"""What the service promises, held against itself and against the outside."""
