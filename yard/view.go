package yard

import "runproof/views"

// stagingView is what the drawing on the staging sheet shows.
const stagingView = views.UsualTop
