"""What a coach speaks over a film: sound as bytes, and takes in which sound and playhead belong together."""
