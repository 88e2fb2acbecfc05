"""What the demo's plans foretold, row by row. Made by graftwright.demo.foretelling; not by hand.

Season, promise, variety, stock, stage, grafts planned, and the Beta: grafts lived, grafts lost.
"""

from datetime import date
from typing import Final

FORETOLD_ON: Final = {2008: date(2008, 2, 17), 2009: date(2009, 3, 6)}

FORETOLD: Final = """\
2008;promise 2008 church;Bramley's Seedling;M25;stock lives;12;140.0;5.0
2008;promise 2008 church;Bramley's Seedling;M25;take;12;11.629;3.063
2008;promise 2008 church;Bramley's Seedling;M25;grows to autumn;12;12.911;1.05
2008;promise 2008 church;Bramley's Seedling;M25;fit to hand over;12;9.966;1.236
2008;promise 2008 school;Discovery;M26;stock lives;17;140.0;5.0
2008;promise 2008 school;Discovery;M26;take;17;11.717;3.287
2008;promise 2008 school;Discovery;M26;grows to autumn;17;12.065;1.097
2008;promise 2008 school;Discovery;M26;fit to hand over;17;11.721;1.277
2008;promise 2008 green;Keswick Codlin;M25;stock lives;6;140.0;5.0
2008;promise 2008 green;Keswick Codlin;M25;take;6;10.672;2.935
2008;promise 2008 green;Keswick Codlin;M25;grows to autumn;6;11.812;1.008
2008;promise 2008 green;Keswick Codlin;M25;fit to hand over;6;9.969;1.168
2008;promise 2008 vicar;Conference;Quince C;stock lives;10;140.0;5.0
2008;promise 2008 vicar;Conference;Quince C;take;10;9.172;3.09
2008;promise 2008 vicar;Conference;Quince C;grows to autumn;10;10.206;1.016
2008;promise 2008 vicar;Conference;Quince C;fit to hand over;10;9.8;1.183
2008;promise 2008 marrow;Egremont Russet;M26;stock lives;10;140.0;5.0
2008;promise 2008 marrow;Egremont Russet;M26;take;10;10.999;3.155
2008;promise 2008 marrow;Egremont Russet;M26;grows to autumn;10;9.983;1.021
2008;promise 2008 marrow;Egremont Russet;M26;fit to hand over;10;9.867;1.204
2008;promise 2008 fold;Victoria;St Julien A;stock lives;10;140.0;5.0
2008;promise 2008 fold;Victoria;St Julien A;take;10;8.919;2.934
2008;promise 2008 fold;Victoria;St Julien A;grows to autumn;10;11.112;0.999
2008;promise 2008 fold;Victoria;St Julien A;fit to hand over;10;10.317;1.146
2008;promise 2008 plots;James Grieve;M26;stock lives;21;140.0;5.0
2008;promise 2008 plots;James Grieve;M26;take;21;11.581;3.255
2008;promise 2008 plots;James Grieve;M26;grows to autumn;21;10.66;1.068
2008;promise 2008 plots;James Grieve;M26;fit to hand over;21;10.492;1.254
2008;promise 2008 plots r;Egremont Russet;M9;stock lives;14;140.0;5.0
2008;promise 2008 plots r;Egremont Russet;M9;take;14;10.712;3.17
2008;promise 2008 plots r;Egremont Russet;M9;grows to autumn;14;9.606;1.033
2008;promise 2008 plots r;Egremont Russet;M9;fit to hand over;14;9.333;1.209
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;stock lives;17;140.0;5.0
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;take;17;10.479;3.034
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;grows to autumn;17;10.358;1.012
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;fit to hand over;17;11.278;1.175
2008;promise 2008 ferrow c;Keswick Codlin;M116;stock lives;8;140.0;5.0
2008;promise 2008 ferrow c;Keswick Codlin;M116;take;8;10.531;3.0
2008;promise 2008 ferrow c;Keswick Codlin;M116;grows to autumn;8;11.266;1.025
2008;promise 2008 ferrow c;Keswick Codlin;M116;fit to hand over;8;11.062;1.166
2008;promise 2008 yard d;Discovery;M27;stock lives;8;140.0;5.0
2008;promise 2008 yard d;Discovery;M27;take;8;9.935;2.909
2008;promise 2008 yard d;Discovery;M27;grows to autumn;8;10.735;0.991
2008;promise 2008 yard d;Discovery;M27;fit to hand over;8;10.249;1.149
2008;promise 2008 yard g;James Grieve;M27;stock lives;1;140.0;5.0
2008;promise 2008 yard g;James Grieve;M27;take;1;9.863;2.892
2008;promise 2008 yard g;James Grieve;M27;grows to autumn;1;9.462;0.962
2008;promise 2008 yard g;James Grieve;M27;fit to hand over;1;9.161;1.126
2008;promise 2008 hallows;Discovery;M9;stock lives;7;140.0;5.0
2008;promise 2008 hallows;Discovery;M9;take;7;10.556;3.076
2008;promise 2008 hallows;Discovery;M9;grows to autumn;7;10.567;1.026
2008;promise 2008 hallows;Discovery;M9;fit to hand over;7;10.189;1.194
2009;promise 2009 church b;Bramley's Seedling;M25;stock lives;5;264.0;10.0
2009;promise 2009 church b;Bramley's Seedling;M25;take;5;23.469;4.615
2009;promise 2009 church b;Bramley's Seedling;M25;grows to autumn;5;27.11;1.263
2009;promise 2009 church b;Bramley's Seedling;M25;fit to hand over;5;27.451;2.097
2009;promise 2009 school d;Discovery;M26;stock lives;7;264.0;10.0
2009;promise 2009 school d;Discovery;M26;take;7;25.414;5.145
2009;promise 2009 school d;Discovery;M26;grows to autumn;7;26.169;1.361
2009;promise 2009 school d;Discovery;M26;fit to hand over;7;27.888;2.244
2009;promise 2009 school g;James Grieve;M26;stock lives;8;264.0;10.0
2009;promise 2009 school g;James Grieve;M26;take;8;23.082;5.118
2009;promise 2009 school g;James Grieve;M26;grows to autumn;8;16.709;1.17
2009;promise 2009 school g;James Grieve;M26;fit to hand over;8;24.437;2.108
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;stock lives;3;264.0;10.0
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;take;3;18.289;4.239
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;grows to autumn;3;17.305;1.023
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;fit to hand over;3;25.313;1.85
2009;promise 2009 church c;Keswick Codlin;M25;stock lives;5;264.0;10.0
2009;promise 2009 church c;Keswick Codlin;M25;take;5;17.253;4.33
2009;promise 2009 church c;Keswick Codlin;M25;grows to autumn;5;25.027;1.206
2009;promise 2009 church c;Keswick Codlin;M25;fit to hand over;5;28.308;2.029
2009;promise 2009 fold w;Conference;Quince C;stock lives;4;264.0;10.0
2009;promise 2009 fold w;Conference;Quince C;take;4;20.778;4.766
2009;promise 2009 fold w;Conference;Quince C;grows to autumn;4;20.849;1.183
2009;promise 2009 fold w;Conference;Quince C;fit to hand over;4;27.328;2.021
2009;promise 2009 fold v;Victoria;St Julien A;stock lives;6;264.0;10.0
2009;promise 2009 fold v;Victoria;St Julien A;take;6;19.323;4.552
2009;promise 2009 fold v;Victoria;St Julien A;grows to autumn;6;23.217;1.182
2009;promise 2009 fold v;Victoria;St Julien A;fit to hand over;6;28.571;1.977
2009;promise 2009 plots r;Egremont Russet;M9;stock lives;12;264.0;10.0
2009;promise 2009 plots r;Egremont Russet;M9;take;12;22.929;4.869
2009;promise 2009 plots r;Egremont Russet;M9;grows to autumn;12;20.057;1.209
2009;promise 2009 plots r;Egremont Russet;M9;fit to hand over;12;24.904;2.029
2009;promise 2009 plots c;Conference;Quince C;stock lives;8;264.0;10.0
2009;promise 2009 plots c;Conference;Quince C;take;8;20.778;4.766
2009;promise 2009 plots c;Conference;Quince C;grows to autumn;8;20.849;1.183
2009;promise 2009 plots c;Conference;Quince C;fit to hand over;8;27.328;2.021
2009;promise 2009 plots a;Ashmead's Kernel;M26;stock lives;9;264.0;10.0
2009;promise 2009 plots a;Ashmead's Kernel;M26;take;9;22.698;4.858
2009;promise 2009 plots a;Ashmead's Kernel;M26;grows to autumn;9;18.964;1.171
2009;promise 2009 plots a;Ashmead's Kernel;M26;fit to hand over;9;26.267;2.083
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;stock lives;9;264.0;10.0
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;take;9;21.313;4.876
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;grows to autumn;9;19.249;1.17
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;fit to hand over;9;29.787;2.075
2009;promise 2009 ferrow c;Keswick Codlin;M116;stock lives;10;264.0;10.0
2009;promise 2009 ferrow c;Keswick Codlin;M116;take;10;17.158;4.531
2009;promise 2009 ferrow c;Keswick Codlin;M116;grows to autumn;10;22.73;1.219
2009;promise 2009 ferrow c;Keswick Codlin;M116;fit to hand over;10;29.767;2.04
2009;promise 2009 workshop;James Grieve;M26;stock lives;20;264.0;10.0
2009;promise 2009 workshop;James Grieve;M26;take;20;23.082;5.118
2009;promise 2009 workshop;James Grieve;M26;grows to autumn;20;16.709;1.17
2009;promise 2009 workshop;James Grieve;M26;fit to hand over;20;24.437;2.108
2009;promise 2009 balcony;Discovery;M27;stock lives;2;264.0;10.0
2009;promise 2009 balcony;Discovery;M27;take;2;22.095;4.596
2009;promise 2009 balcony;Discovery;M27;grows to autumn;2;24.358;1.212
2009;promise 2009 balcony;Discovery;M27;fit to hand over;2;28.181;2.038
"""
