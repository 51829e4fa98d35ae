"""Steel, money, orders: what a job asks for, what bars weigh and cost, what each piece costs."""
