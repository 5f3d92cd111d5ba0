"""The service over HTTP: views of a few lines, strict input, problems that teach, one document."""
