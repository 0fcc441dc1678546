"""What compost is sold for and used for: stock, orders, promises, costs, and rates to spread it at."""
