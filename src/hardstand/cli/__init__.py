"""The commands, thin: parse, call one flow, show one view."""
