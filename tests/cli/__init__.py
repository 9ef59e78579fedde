"""Guarded here: commands as people type them: output, messages, exit codes."""
