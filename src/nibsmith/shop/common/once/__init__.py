"""A form is written once, however often it is sent: a double press, a line that broke.

Every form that adds something carries the value, and so does one that is refused when what it shows was
changed meanwhile. A form that sets something to what it says does not need it: sent twice it says the same.
"""
