"""The workshop's own settings: units, scale, money, markets, and what it usually works with."""
