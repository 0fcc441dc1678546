"""What to mix from what is there: mixing laws, recipes in whole loads, their chances. Pure."""
