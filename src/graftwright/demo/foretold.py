"""What the demo's plans foretold, row by row. Made by graftwright.demo.foretelling; not by hand.

Season, promise, variety, stock, stage, grafts planned, and the Beta: grafts lived, grafts lost.
"""

from datetime import date
from typing import Final

FORETOLD_ON: Final = {2008: date(2008, 2, 17), 2009: date(2009, 3, 6)}

FORETOLD: Final = """\
2008;promise 2008 church;Bramley's Seedling;M25;stock lives;12;140.0;5.0
2008;promise 2008 church;Bramley's Seedling;M25;take;12;11.635;3.044
2008;promise 2008 church;Bramley's Seedling;M25;grows to autumn;12;13.225;1.063
2008;promise 2008 church;Bramley's Seedling;M25;fit to hand over;12;10.357;1.284
2008;promise 2008 school;Discovery;M26;stock lives;16;140.0;5.0
2008;promise 2008 school;Discovery;M26;take;16;11.827;3.307
2008;promise 2008 school;Discovery;M26;grows to autumn;16;12.62;1.139
2008;promise 2008 school;Discovery;M26;fit to hand over;16;12.004;1.3
2008;promise 2008 green;Keswick Codlin;M25;stock lives;6;140.0;5.0
2008;promise 2008 green;Keswick Codlin;M25;take;6;10.719;2.933
2008;promise 2008 green;Keswick Codlin;M25;grows to autumn;6;12.264;1.036
2008;promise 2008 green;Keswick Codlin;M25;fit to hand over;6;10.255;1.2
2008;promise 2008 vicar;Conference;Quince C;stock lives;10;140.0;5.0
2008;promise 2008 vicar;Conference;Quince C;take;10;9.28;3.158
2008;promise 2008 vicar;Conference;Quince C;grows to autumn;10;10.778;1.068
2008;promise 2008 vicar;Conference;Quince C;fit to hand over;10;10.112;1.219
2008;promise 2008 marrow;Egremont Russet;M26;stock lives;10;140.0;5.0
2008;promise 2008 marrow;Egremont Russet;M26;take;10;11.135;3.185
2008;promise 2008 marrow;Egremont Russet;M26;grows to autumn;10;10.904;1.107
2008;promise 2008 marrow;Egremont Russet;M26;fit to hand over;10;10.422;1.267
2008;promise 2008 fold;Victoria;St Julien A;stock lives;10;140.0;5.0
2008;promise 2008 fold;Victoria;St Julien A;take;10;9.008;2.986
2008;promise 2008 fold;Victoria;St Julien A;grows to autumn;10;11.513;1.029
2008;promise 2008 fold;Victoria;St Julien A;fit to hand over;10;10.512;1.164
2008;promise 2008 plots;James Grieve;M26;stock lives;21;140.0;5.0
2008;promise 2008 plots;James Grieve;M26;take;21;11.678;3.272
2008;promise 2008 plots;James Grieve;M26;grows to autumn;21;11.488;1.143
2008;promise 2008 plots;James Grieve;M26;fit to hand over;21;10.972;1.306
2008;promise 2008 plots r;Egremont Russet;M9;stock lives;14;140.0;5.0
2008;promise 2008 plots r;Egremont Russet;M9;take;14;10.769;3.19
2008;promise 2008 plots r;Egremont Russet;M9;grows to autumn;14;10.309;1.106
2008;promise 2008 plots r;Egremont Russet;M9;fit to hand over;14;9.731;1.263
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;stock lives;17;140.0;5.0
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;take;17;10.516;3.043
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;grows to autumn;17;11.016;1.069
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;fit to hand over;17;11.454;1.185
2008;promise 2008 ferrow c;Keswick Codlin;M116;stock lives;8;140.0;5.0
2008;promise 2008 ferrow c;Keswick Codlin;M116;take;8;10.536;2.999
2008;promise 2008 ferrow c;Keswick Codlin;M116;grows to autumn;8;11.674;1.056
2008;promise 2008 ferrow c;Keswick Codlin;M116;fit to hand over;8;11.258;1.179
2008;promise 2008 yard d;Discovery;M27;stock lives;8;140.0;5.0
2008;promise 2008 yard d;Discovery;M27;take;8;9.976;2.921
2008;promise 2008 yard d;Discovery;M27;grows to autumn;8;11.229;1.028
2008;promise 2008 yard d;Discovery;M27;fit to hand over;8;10.495;1.171
2008;promise 2008 yard g;James Grieve;M27;stock lives;1;140.0;5.0
2008;promise 2008 yard g;James Grieve;M27;take;1;9.896;2.903
2008;promise 2008 yard g;James Grieve;M27;grows to autumn;1;10.212;1.03
2008;promise 2008 yard g;James Grieve;M27;fit to hand over;1;9.597;1.176
2008;promise 2008 hallows;Discovery;M9;stock lives;8;140.0;5.0
2008;promise 2008 hallows;Discovery;M9;take;8;10.636;3.099
2008;promise 2008 hallows;Discovery;M9;grows to autumn;8;11.086;1.072
2008;promise 2008 hallows;Discovery;M9;fit to hand over;8;10.454;1.224
2009;promise 2009 church b;Bramley's Seedling;M25;stock lives;5;264.0;10.0
2009;promise 2009 church b;Bramley's Seedling;M25;take;5;23.039;4.51
2009;promise 2009 church b;Bramley's Seedling;M25;grows to autumn;5;27.406;1.264
2009;promise 2009 church b;Bramley's Seedling;M25;fit to hand over;5;27.801;2.133
2009;promise 2009 school d;Discovery;M26;stock lives;7;264.0;10.0
2009;promise 2009 school d;Discovery;M26;take;7;25.195;5.09
2009;promise 2009 school d;Discovery;M26;grows to autumn;7;26.506;1.384
2009;promise 2009 school d;Discovery;M26;fit to hand over;7;28.37;2.306
2009;promise 2009 school g;James Grieve;M26;stock lives;8;264.0;10.0
2009;promise 2009 school g;James Grieve;M26;take;8;22.824;5.08
2009;promise 2009 school g;James Grieve;M26;grows to autumn;8;18.062;1.291
2009;promise 2009 school g;James Grieve;M26;fit to hand over;8;25.2;2.203
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;stock lives;3;264.0;10.0
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;take;3;17.893;4.186
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;grows to autumn;3;18.35;1.092
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;fit to hand over;3;25.85;1.888
2009;promise 2009 church c;Keswick Codlin;M25;stock lives;5;264.0;10.0
2009;promise 2009 church c;Keswick Codlin;M25;take;5;17.079;4.333
2009;promise 2009 church c;Keswick Codlin;M25;grows to autumn;5;25.396;1.215
2009;promise 2009 church c;Keswick Codlin;M25;fit to hand over;5;28.259;2.028
2009;promise 2009 fold w;Conference;Quince C;stock lives;4;264.0;10.0
2009;promise 2009 fold w;Conference;Quince C;take;4;20.318;4.698
2009;promise 2009 fold w;Conference;Quince C;grows to autumn;4;21.479;1.227
2009;promise 2009 fold w;Conference;Quince C;fit to hand over;4;27.481;2.036
2009;promise 2009 fold v;Victoria;St Julien A;stock lives;6;264.0;10.0
2009;promise 2009 fold v;Victoria;St Julien A;take;6;18.9;4.496
2009;promise 2009 fold v;Victoria;St Julien A;grows to autumn;6;23.435;1.192
2009;promise 2009 fold v;Victoria;St Julien A;fit to hand over;6;28.484;1.967
2009;promise 2009 plots r;Egremont Russet;M9;stock lives;12;264.0;10.0
2009;promise 2009 plots r;Egremont Russet;M9;take;12;22.492;4.784
2009;promise 2009 plots r;Egremont Russet;M9;grows to autumn;12;20.926;1.276
2009;promise 2009 plots r;Egremont Russet;M9;fit to hand over;12;25.394;2.086
2009;promise 2009 plots c;Conference;Quince C;stock lives;8;264.0;10.0
2009;promise 2009 plots c;Conference;Quince C;take;8;20.318;4.698
2009;promise 2009 plots c;Conference;Quince C;grows to autumn;8;21.479;1.227
2009;promise 2009 plots c;Conference;Quince C;fit to hand over;8;27.481;2.036
2009;promise 2009 plots a;Ashmead's Kernel;M26;stock lives;9;264.0;10.0
2009;promise 2009 plots a;Ashmead's Kernel;M26;take;9;22.414;4.807
2009;promise 2009 plots a;Ashmead's Kernel;M26;grows to autumn;9;20.266;1.267
2009;promise 2009 plots a;Ashmead's Kernel;M26;fit to hand over;9;26.739;2.14
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;stock lives;9;264.0;10.0
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;take;9;20.849;4.813
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;grows to autumn;9;20.385;1.251
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;fit to hand over;9;29.965;2.083
2009;promise 2009 ferrow c;Keswick Codlin;M116;stock lives;10;264.0;10.0
2009;promise 2009 ferrow c;Keswick Codlin;M116;take;10;16.903;4.543
2009;promise 2009 ferrow c;Keswick Codlin;M116;grows to autumn;10;22.821;1.231
2009;promise 2009 ferrow c;Keswick Codlin;M116;fit to hand over;10;29.741;2.032
2009;promise 2009 workshop;James Grieve;M26;stock lives;21;264.0;10.0
2009;promise 2009 workshop;James Grieve;M26;take;21;22.824;5.08
2009;promise 2009 workshop;James Grieve;M26;grows to autumn;21;18.062;1.291
2009;promise 2009 workshop;James Grieve;M26;fit to hand over;21;25.2;2.203
2009;promise 2009 balcony;Discovery;M27;stock lives;2;264.0;10.0
2009;promise 2009 balcony;Discovery;M27;take;2;21.661;4.505
2009;promise 2009 balcony;Discovery;M27;grows to autumn;2;24.637;1.222
2009;promise 2009 balcony;Discovery;M27;fit to hand over;2;28.309;2.05
"""
