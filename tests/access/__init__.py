"""Who is let in, for what, how often, and what they are shown."""
