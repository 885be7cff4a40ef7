"""Words: figures become text, templates become lines, a layout file becomes places."""
