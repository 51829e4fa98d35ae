"""The words of every action, one module a subject: templates, the shop's stock and orders, settings; and how fields are told."""
