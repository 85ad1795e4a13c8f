"""What the coach marks, as commands; no Qt here."""
