"""Every way to fail: those of the tool, and further ones that other distributions bring."""
