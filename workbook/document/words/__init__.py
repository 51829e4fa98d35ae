"""The words of every action, one module per subject: templates, stock and orders, settings; and the formatting of fields."""
