"""The film on screen: picture, clock, tools."""
