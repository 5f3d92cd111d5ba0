"""The OpenAPI document, written from the code."""
