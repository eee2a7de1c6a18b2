"""What every app of the shop leans on: base records, the change log, safe answers to the browser."""
