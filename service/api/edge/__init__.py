"""What happens between the wire and a view: strict reading, negotiation, validators, paging."""
