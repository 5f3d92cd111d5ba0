"""What tests of several parts need."""
