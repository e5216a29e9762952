"""A hierarchical model of scores, integrated in full: what each thing that came along added."""
