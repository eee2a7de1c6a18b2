"""The maker's records: the web project and its apps."""
