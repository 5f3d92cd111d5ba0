"""One question or one write each; every one is told who calls."""
