"""What is worked out from pictures and costs seconds: followed points, drafted footfalls."""
