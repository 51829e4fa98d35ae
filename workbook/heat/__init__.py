"""Heat treatment: what a bath of oil takes, what tempering leaves, what a table says of a steel. °C and kJ; pure."""
