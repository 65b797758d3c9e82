# Words that the forms themselves need.
form-photo = photo: { $caption }
form-blank = to be filled in by hand
form-contents = What is in it
form-page = page
