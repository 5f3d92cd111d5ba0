"""What is charged: amounts, lines, tax and the total. The one engine of every price that is told."""
