"""Linear programs by HiGHS, imported only where one is solved by it."""
