"""What stands around the lessons: the environment, the learner's course folder, JupyterLab and the checks.

Runs before anything is installed, so every module here uses the standard library only.
"""
