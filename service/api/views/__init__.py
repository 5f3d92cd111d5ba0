"""One module for each thing that has an address."""
