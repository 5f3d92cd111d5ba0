"""The command line: the demo, the server, a check without a server, and the catalogue."""
