"""The service over HTTP, asked through a client in this process."""
