"""The ground of a yard: what rows cover, how much fits, what rain runs off and what a pond must hold."""
