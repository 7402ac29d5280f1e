"""Lessons: texts with live questions, stations with their kit, quizzes made from the model, skill records."""
