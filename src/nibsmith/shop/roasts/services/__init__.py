"""Write roasts: each call is one transaction and one entry of the change log."""
