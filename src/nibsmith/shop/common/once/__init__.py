"""A form is written once, however often it is sent: a double press, a page loaded anew, two windows."""
