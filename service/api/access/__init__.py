"""Who may ask: keys, what they are good for, how often, and from which web pages."""
