"""Papers and open formats: what each must show, and to whom."""
