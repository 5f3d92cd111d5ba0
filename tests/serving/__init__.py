"""The server as its machinery sees it: starting, stopping, several of them, what it counts and logs."""
