/**
 * The words of the patient pages in English; the history questions and the lines of a plan are in the
 * protocol. A placeholder stands in {braces}; `pageText` fills it.
 */

/** Each question of an aftercare check, with the words of its answers. */
export const checkQuestions = {
  pain: {
    ask: 'How bad is any pain in your {ears}?',
    help: '0 is no pain. 10 is the worst pain you can think of.',
    low: 'No pain',
    high: 'Worst pain',
  },
  discharge: {
    ask: 'Has anything come out of your {ears}?',
    help: 'You can choose more than one.',
    answers: {
      none: 'Nothing',
      clear: 'Clear fluid',
      coloured: 'Yellow, green or brown fluid',
      smelly: 'Fluid that smells',
      blood: 'Blood',
    },
  },
  hearing: {
    ask: 'How is your hearing now?',
    help: 'Think of how it was just before the visit.',
    answers: {
      better: 'Better than before the visit',
      same: 'The same',
      worse: 'Worse than before the visit',
      sudden: 'It got much worse all at once',
    },
  },
  dizziness: {
    ask: 'Have you felt dizzy since the visit?',
    help: '',
    answers: {
      none: 'No',
      gone: 'For a short time, and now it has gone',
      comes: 'It comes and goes',
      now: 'Yes, I feel dizzy now',
      unsteady: 'Yes, and I cannot stand or walk well',
    },
  },
  other: {
    ask: 'Is there anything else that you want to tell us?',
    help: 'Use your own words.',
  },
} as const

export const pages = {
  shared: {
    clinicIntro: 'This page is from {clinic}.',
    next: 'Next',
    back: 'Back',
    send: 'Send my answers',
    yes: 'Yes',
    no: 'No',
    unsure: 'Not sure',
    left: 'Left ear',
    right: 'Right ear',
    both: 'Both ears',
    notEmergency:
      'We are not an emergency service. If you feel very ill, call {emergencyNumber} now, or ask someone to call for you.',
    contact: 'You can text us back, or call {phone} (text relay is fine).',
    sent: 'Thank you. We have your answer.',
    changeAnswer: 'Change my answer',
    required: 'Please choose an answer.',
    ownWords: 'Anything you want to add, in your own words',
    largerText: 'Larger text',
  },
  gate: {
    heading: 'First, one short question',
    ask: 'What year were you born in?',
    help: 'Four numbers, such as 1948.',
    wrong: 'That year does not match. You can try {tries} more times.',
    lastTry: 'That year does not match. You can try once more.',
    locked:
      'This link is now closed to keep you safe. Please text us back or call {phone} (text relay is fine).',
  },
  link: {
    expired: 'This link is too old. Please reply to our last text and we will send a new one.',
    used: 'This has been answered already. If you want to change it, reply to our last text.',
    wrong: 'This link does not work. Please check that you have all of it, or reply to our last text.',
    broken:
      'Something went wrong on our side. Your answer may not have been kept. Please reply to our last text.',
  },
  screening: {
    heading: 'About your ears',
    why: 'Some ears must not have drops. Please use no ear drops until we tell you.',
    withheld: 'Please use no ear drops before your visit. Your clinician has been told.',
    planned: 'Thank you. We will text you when to start your drops. Please use none before then.',
    toPerson:
      'Thank you. We have asked our staff to look at your answers. Please use no ear drops until we reply.',
  },
  plan: {
    heading: 'How to use your ear drops',
    often: 'Use them in your {ears}, {doses} a day. Start on {firstDay}. The last day is {lastDay}.',
    mayBlock: 'Your hearing may feel more blocked for a while. If it gets much worse, tell us.',
  },
  dose: {
    heading: 'Your drops on {day}',
    ask: 'How many times did you put drops in?',
    all: 'All {doses}',
    some: 'Some of them',
    none: 'None',
    howMany: 'How many times?',
    trouble: 'Did the drops hurt, or did anything feel wrong? Tell us here.',
    noted: 'Thank you. We have noted {answer} for {day}.',
  },
  move: {
    heading: 'A new time for your visit',
    now: 'Your visit is on {when}.',
    ask: 'Which time would you like?',
    choose: 'Choose {when}',
    keep: 'Keep my time',
    by: 'Please choose by {answerBy}. Until then, your visit stays as it is.',
    taken: 'Sorry, that time has just gone. Your visit stays on {when}.',
    moved: 'Thank you. Your visit is now on {when}.',
    kept: 'Thank you. Your visit stays on {when}.',
    late: 'It is too late to choose now. Your visit stays on {when}. To ask for another time, text us back.',
  },
  visit: {
    heading: 'Your visit',
    cannotCome: 'I cannot come',
    otherTime: 'Ask for another time',
    noted: 'Thank you. We have told our desk. Your visit stays on {when} until we text you.',
  },
  check: {
    heading: 'How are things with your {ears}?',
    intro: 'Five short questions. You do not need to hear or speak.',
    progress: 'Question {number} of {count}',
    stored: 'Thank you. We have your answers. If things change or get worse, text us.',
  },
  messages: {
    stop: 'Stop all texts to me',
    stopped: 'We have stopped our texts to you. No visit is cancelled.',
    start: 'Send me texts again',
  },
} as const
