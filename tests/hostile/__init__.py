"""Input that means harm, through the whole house."""
