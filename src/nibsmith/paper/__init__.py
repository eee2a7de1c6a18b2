"""Documents for the printer, made from answers."""
