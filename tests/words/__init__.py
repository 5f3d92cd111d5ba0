"""What is said: every code has its sentence, and the sentences can be read to a customer."""
