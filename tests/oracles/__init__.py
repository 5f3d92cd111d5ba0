"""Judges that share no code with the service: SQL, a logic program, and brute force over worlds."""
