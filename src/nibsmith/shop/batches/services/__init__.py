"""Write batches: each call is one transaction, its entry in the change log, and what the kit learns of it."""
