"""Emoji that are joined from several signs, by what they show."""

JOINED = {
    "woman playing handball": "\U0001f93e\u200d\u2640\ufe0f",
    "of a skin tone": "\U0001f93e\U0001f3fd",
    "both": "\U0001f93e\U0001f3fd\u200d\u2640\ufe0f",
    "family of four": "\U0001f468\u200d\U0001f469\u200d\U0001f467\u200d\U0001f466",
    "flag of letters": "\U0001f1e9\U0001f1ea",
    "flag of tags": "\U0001f3f4\U000e0067\U000e0062\U000e0065\U000e006e\U000e0067\U000e007f",
    "keycap": "1\ufe0f\u20e3",
    "rainbow flag": "\U0001f3f3\ufe0f\u200d\U0001f308",
}
"""Sequences of emoji-sequences.txt and emoji-zwj-sequences.txt, Unicode Technical Standard 51."""
