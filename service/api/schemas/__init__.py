"""The shapes that go in and out, as the document tells them."""
