"""What leaves the program: what is drawn on a frame, tables, pages."""
