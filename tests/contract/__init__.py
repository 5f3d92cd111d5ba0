"""The document and the service hold each other to their word."""
