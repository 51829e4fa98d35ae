"""Steel, money and orders: the records of a job, the weight and cost of bars, the cost of each piece."""
