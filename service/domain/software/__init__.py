"""Software of the boards: versions, ranges, which releases go together, and the order of loading them."""
