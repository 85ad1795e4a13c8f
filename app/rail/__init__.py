"""The step rail: contacts and flights on a time axis that runs down beside the film."""
