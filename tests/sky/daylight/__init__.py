"""Light, exposure and colour against the papers that they come from."""
