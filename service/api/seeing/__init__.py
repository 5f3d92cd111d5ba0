"""What is seen of every request: counted, logged in one line, and joined to the caller's trace."""
