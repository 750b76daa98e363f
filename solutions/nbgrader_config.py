"""nbgrader's settings for this course: sources in solutions/, what learners get in lessons/.

A class has a folder of its own, apart from this repository, whose nbgrader_config.py loads this file
and then names its own root and gradebook ('parked-hvac class new' writes it).
"""

from pathlib import Path

c = get_config()  # noqa: F821 - nbgrader puts get_config into the namespace of this file

repository = Path(__file__).resolve().parents[1]

c.CourseDirectory.root = str(repository)
c.CourseDirectory.source_directory = "solutions"
c.CourseDirectory.release_directory = "lessons"
# Out of git's sight: an author's own trial gradebook is no part of the course.
c.CourseDirectory.db_url = f"sqlite:///{repository / '.course' / 'author-gradebook.db'}"
c.CourseDirectory.ignore = [".ipynb_checkpoints", "*.pyc", "__pycache__", "feedback"]

# A grading cell takes some seconds; a cell without end must not hold up a class.
c.Execute.timeout = 240
# Output of a learner's cells is kept short in what a person marks.
c.LimitOutput.max_lines = 400
c.LimitOutput.max_traceback = 40

c.ClearSolutions.code_stub = {"python": "# your answer here"}
c.ClearSolutions.text_stub = "Your answer here."

# What a learner wrote is shown to the person who marks it, so it must not act as markup there.
c.HTMLExporter.sanitize_html = True
