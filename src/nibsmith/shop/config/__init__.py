"""Settings, addresses and checks of the web project."""
