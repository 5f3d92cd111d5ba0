"""The server of the app: gunicorn, its configuration, and what happens when it is told to stop."""
