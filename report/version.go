package report

// Version is that of what makes reports: of the computation and of the pages together. It
// is raised with every change to a result or to a page, so that a report tells by which
// it was made, however the program was built.
const Version = "0.2"
