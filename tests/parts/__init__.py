"""Parts look-up, held against a graph library."""
